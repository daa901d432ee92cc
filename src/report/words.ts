/** An id in words. @example words('rotary-hoe') // 'rotary hoe' */
export const words = (id: string): string => id.replaceAll('-', ' ');
